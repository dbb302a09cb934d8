"""The HTML page: its layout, made from the record and the previews alone."""
