"""Where it happens and to whom: the shop, its town, stock and days, households and appliances."""
