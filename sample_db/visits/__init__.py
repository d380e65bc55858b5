"""What happens: troubles, visits, findings, what is measured, fitted and written."""
