"""What to buy: what open work draws beyond the stock, and the cheapest packs that cover it.

Here belong the counting of needs and the covering of them by packs. What a gram costs in the
cost of a part is the domain's; who asks and with which orders is the use cases'.
"""
