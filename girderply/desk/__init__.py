"""The desk: pages in the browser, served to this machine alone, over the same functions.

A page shows what the commands would say of a job file, at once: a change goes into the file, the
file is read, the girder decided and drawn. No rule, number or sentence is made here.
"""
