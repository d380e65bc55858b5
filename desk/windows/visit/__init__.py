"""The visit sheet: one window for one visit, from the door to the signed page."""
