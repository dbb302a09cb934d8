"use strict";
/* Find and order the pictures of the contact sheet and of "Picture by picture". The page is whole
   without this script; the controls are hidden then. It reads what stands on the page and asks
   for nothing.

   The contact sheet, beside the controls, looks right at once. What costs more follows in short
   steps: the order in which the keyboard and a screen reader go through it, and the large parts of
   the pictures. So a set of a thousand never keeps the reader waiting. */
(() => {
  const STEP_MS = 12; // less than a frame at 60 Hz
  const byId = (id) => document.getElementById(id);
  const controls = byId("find");
  const status = byId("find-status");
  const clear = byId("find-clear");
  const sheet = document.querySelector("#contact .contact");
  const fields = {
    text: byId("find-text"), verdict: byId("find-verdict"),
    kind: byId("find-kind"), order: byId("find-order"),
  };
  const lower = (text) => text.toLocaleLowerCase().normalize("NFC");
  const chosen = (name) => (fields[name] ? fields[name].value : "");

  const pictures = [...sheet.children].map((frame) => ({
    frame,
    anchor: frame.querySelector("a").hash.slice(1),
    part: null, // its own part below, which may not have been read yet
    text: lower(frame.querySelector("bdi").textContent + " " + (frame.dataset.shot || "")),
    has: new Set(frame.dataset.has.split(" ")),
    places: frame.dataset.places.split(" ").map(Number),
    shown: true,
  }));
  const anchored = new Map(pictures.map((picture) => [picture.anchor, picture]));
  let row = pictures; // in the chosen order
  let place = 0; // of the chosen order among all; the first is the set's own
  let placeMoved = 0; // of the order in which everything stands in the page
  let steps = null; // what is still to be done to the parts
  let timer = 0;

  function sort() {
    const wanted = fields.order ? Math.max(fields.order.selectedIndex, 0) : 0;
    if (wanted === place) return;
    place = wanted;
    row = [...pictures].sort((a, b) => a.places[place] - b.places[place]);
    row.forEach((picture, i) => { picture.frame.style.order = i; });
  }

  function filter() {
    const words = lower(chosen("text")).split(/\s+/).filter(Boolean);
    const needed = [chosen("verdict"), chosen("kind")].filter(Boolean);
    let n = 0;
    for (const picture of pictures) {
      picture.shown = words.every((word) => picture.text.includes(word))
        && needed.every((one) => picture.has.has(one));
      if (picture.frame.hidden === picture.shown) picture.frame.hidden = !picture.shown;
      if (picture.shown) n += 1;
    }
    const isWhole = n === pictures.length;
    const said = (isWhole ? status.dataset.all : status.dataset.shown.replace("{}", n))
      .replace("{}", pictures.length);
    if (status.textContent !== said) status.textContent = said;
    clear.disabled = words.length + needed.length === 0;
    controls.classList.toggle("narrowed", !isWhole);
  }

  function* changesThatFollow() {
    for (const picture of row) {
      if (picture.part && picture.part.hidden === picture.shown) {
        picture.part.hidden = !picture.shown;
        yield;
      }
    }
    if (placeMoved === place) return;
    placeMoved = -1; // neither, until all is moved
    const list = byId("pictures");
    for (const { frame, part } of row) {
      sheet.append(frame);
      if (part && part.parentNode === list) {
        list.append(part);
      }
      yield;
    }
    placeMoved = place;
  }

  function work(until) {
    // Two changes in a row may both have asked for a turn; the first may then leave nothing to do.
    while (steps && performance.now() < until) {
      if (steps.next().done) steps = null;
    }
    if (steps) timer = setTimeout(() => work(performance.now() + STEP_MS), 0);
  }

  function finish() {
    clearTimeout(timer);
    if (steps) work(Infinity);
  }

  function apply() {
    sort();
    filter();
    clearTimeout(timer);
    steps = changesThatFollow();
    requestAnimationFrame(() => { timer = setTimeout(() => { if (steps) work(performance.now() + STEP_MS); }, 0); });
  }

  function showAll() {
    for (const name of ["text", "verdict", "kind"]) if (fields[name]) fields[name].value = "";
    apply();
  }

  controls.addEventListener("input", apply);
  clear.addEventListener("click", () => {
    showAll();
    fields.text.focus();
  });
  // A link to a picture that is hidden shows it.
  document.addEventListener("click", (event) => {
    const link = event.target.closest && event.target.closest('a[href^="#"]');
    const picture = link && anchored.get(link.hash.slice(1));
    if (picture && !picture.shown) showAll();
    if (picture) finish();
  });
  addEventListener("beforeprint", () => {
    finish();
    for (const image of document.images) image.loading = "eager"; // on paper nothing is out of sight
  });
  controls.hidden = false;
  apply();
  document.addEventListener("DOMContentLoaded", () => {
    for (const picture of pictures) picture.part = byId(picture.anchor);
    apply();
  });
})();
