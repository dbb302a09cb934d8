"""A real browser for the pages that are written."""

from __future__ import annotations

import shutil

import pytest
from playwright.sync_api import sync_playwright

CHROMIUM = shutil.which("chromium")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
WIDE = {"width": 1280, "height": 900}


@pytest.fixture(scope="module")
def browser():
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture
def open_page(browser, page_file):
    """Open the page of the test's module, and keep what it requests and complains of."""
    contexts = []

    def open_it(**options):
        context = browser.new_context(**{"viewport": WIDE, **options})
        contexts.append(context)
        requests, complaints = [], []
        context.on("request", lambda request: requests.append(request.url))
        page = context.new_page()
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.goto(page_file.as_uri())
        return page, requests, complaints

    yield open_it
    for context in contexts:
        context.close()
