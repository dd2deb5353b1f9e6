"""Studies: which shaft, of these many?"""
