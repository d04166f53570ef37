"""What a page, a paper or an answer shows, gathered from the journal."""
