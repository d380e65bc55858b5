"""Page, text, tables, fonts and letterhead: what every document is made of."""
