"""An open office: transactions, its guard, upgrades, and the protocol of commands and queries."""
