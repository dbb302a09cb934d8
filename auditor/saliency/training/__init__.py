"""Training of the subject network; needs the extra ``train`` (torch), never used at run time."""
