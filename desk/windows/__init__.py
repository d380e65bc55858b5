"""What is seen: Qt windows that hand in commands and queries, and show what comes back."""
