"""The windows of the office itself: shop, people, parts, orders, importing, the first start."""
