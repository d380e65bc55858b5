"""What is printed: one module a document, built from plain snapshots."""
