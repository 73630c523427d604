"""Interfaces, sizes and loads, computed: pure functions over frozen data, no Django.

- tolerances: sizes as they are written (ISO 286 classes, tapers); sampling: measured sizes as tolerance intervals;
  known: stated and measured sizes of a component
- features: one figure against one limit; press_fit, pressed and seats: all that is judged; resize: what machining cures
- matching: one revision against one component with its verdict, and many against many
- sizes: fewest bodies and spacers; families: which components they serve
- corner, compliance, articulation: forces, deflection and angles of one suspension corner; axle_loads: all of an axle
- constants: the one table of figures with unit and source; errors: what is refused
"""
