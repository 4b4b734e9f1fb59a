"""Made-up bins with a known truth, from a generator that is not the process model: own structure, own noise.

Nothing here may import the process model or the science of the program, or it would only be judged by itself.
"""
