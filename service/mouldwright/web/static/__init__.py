"""Styles and small scripts of the pages. No build step: what is here is what is sent."""
