"""Interfaces, sizes and loads, computed: pure functions over frozen data, no Django.

- tolerances: ISO 286 classes to limits; sampling: measured sizes as tolerance intervals
- press_fit, seats, freedoms: one feature each; interface: all of them into a verdict; resize: what machining
cures
- known: stated and measured sizes of a component; matching: many against many, equal ones once
- sizes: fewest bodies and spacers; families: which components they serve
- corner, loads, compliance, articulation: forces, deflection and angles of one suspension corner
- axle_loads: all of these for one axle
- constants: the one table of figures with unit and source; errors: what is refused
"""
