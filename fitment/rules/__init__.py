"""Does it fit, what to ask next, how well it is known: pure functions over frozen facts (2-domain.md).

Everything is answered as if all possible cars were enumerated, but a car is only taken apart as far as the rows
at hand read it: `space` hold a variant's days and options, `cells` of a region are the coarsest pieces on which
nothing that is read changes.
"""
