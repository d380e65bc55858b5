"""The list of a day, spans, the preview of a booking, chains of visits, dangers reported."""
