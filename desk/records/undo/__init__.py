"""Taking back and bringing back what somebody did."""
