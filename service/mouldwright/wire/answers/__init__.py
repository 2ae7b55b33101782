"""The shapes of what mouldwright answers, the same from every face.

Money is a string with the currency's decimals, times are ISO 8601 with offset, counts
are integers. A key that isn't known is null.
"""
