"""Published standards as pure functions: one package per document and edition.

Nothing here knows a girder or a job. The basis is whatever package a caller imports; there is no
current code. Mixing two editions shows in the imports.
"""
