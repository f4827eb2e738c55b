"""A forward model: from planted faults to what a sensor on the vehicle would record.

It makes test and teaching recordings. It shares conversions with the analysis and nothing else.
"""
