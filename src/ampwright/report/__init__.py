"""One document, then a writer for each form."""
