"""The steering study: a linkage in space swept from lock to lock, and cylinder, stops, ports, marks and oil circuit
read off the sweep. :func:`plategen.steering.study.study` is the way in; all else serves it or shows what it found.

Data goes one way: ``motion`` moves a whole ``linkage``, ``sweep`` turns it to its locks; ``mount``, ``cylinder``,
``alignment``, ``stops`` and their like read the sweep; ``study`` gathers them. Places are in the vehicle frame of
ISO 8855 (x forward, y left, z up), lengths mm, angles rad.
"""
