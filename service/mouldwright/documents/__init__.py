"""Documents: plain data in, bytes out.

Here belong the words and figures of what is printed or sent, in every language it is sent in, and
the setting of it on paper. Where the data comes from is the use cases'; drawings are the figures'.
"""
