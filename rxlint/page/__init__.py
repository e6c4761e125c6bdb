"""A page that runs the same program in a browser, for those who can install nothing: what the page asks of it, and how
the folder of files is made that any server of files can serve.

``shapes.py`` says what passes between the two sides; ``web/`` holds what a browser runs beside Python.
"""
