"""Fast planning of plain flow: units through chains of hands, cures and moulds.

Where a shop's problem is really of this kind it is planned here, with far stronger
bounds than the general model can give; nothing here knows shops, parts or processes.
"""
