"""Every document but the service report: day sheet, summary, history, labels, cards."""
