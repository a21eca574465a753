"""Small matrices, many processes: threads of the linear algebra would only get in the way."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
