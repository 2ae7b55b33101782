"""What a part costs and what to charge for it: scrap, labour, materials, tooling, price.

Every figure is kept exact until a document rounds it, and every line can be opened to
the numbers that made it.
"""
