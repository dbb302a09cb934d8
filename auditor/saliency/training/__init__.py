"""Training of the subject network; needs the extra ``train`` (torch); not used at run time."""
