"""Archives of orders, screened over many processes or machines: batches in, one part file out for each.

Which documents a batch holds, what a part holds and how it is called rest on the input alone; so the result is the
same, byte for byte, however many workers there are and whichever of them is lost on the way. Only ``cluster`` knows
Dask, only ``parquet`` knows Arrow.
"""
