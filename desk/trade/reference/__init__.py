"""Tables and ids from `shared/`: reference values, complaints, kinds of sensing, drawings."""
