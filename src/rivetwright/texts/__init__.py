"""The text catalogue: every sentence a face shows, by key, in one file a language."""
