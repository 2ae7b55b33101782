"""What a page shows, as frozen values in the reader's words; templates work nothing out."""
