"""What a visit is charged: money in whole cents, labour, parts and taxes."""
