"""The service report and the copy for the office, section by section."""
