"""What is seen: Qt windows that hand in jobs and show snapshots."""
