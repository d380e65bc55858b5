"""What is printed: from a frozen value to the bytes of its pages, one module a document."""
