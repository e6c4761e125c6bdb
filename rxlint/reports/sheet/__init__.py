"""The checker's sheet: one page of HTML for the person who checks an order, and the index page of a library.

What is shown is gathered as plain rows first, and the templates beside this module lay it out; no number is worked out
in a template. Needs jinja2 (the extra ``sheet``).
"""
