"""Cautions that stand wherever work on a car is shown, whatever the catalogue says of its steps. Pure."""

# (common practice of the trade, no source)
USUAL_CAUTIONS = (
    "Stand the car on firm, level ground and on stands or a lift made for its weight, never on a jack alone.",
    "Springs and struts store energy. A loaded spring is only let go in a compressor made for it.",
    "Airbags and high-voltage parts are made safe by people qualified for them before work near them begins.",
    "Brake and steering joints that were opened are checked by a second person before the car moves.",
    "Single-use bolts and nuts are replaced; threads are clean and dry unless the repair information says otherwise.",
    "Rubber joints are tightened with the car at ride height, or they twist and tear.",
    "The wheel alignment is checked afterwards, and sensors that lost their reference are calibrated.",
)
DEFERENCE = (
    "The car maker's repair information comes first. Work on steering, brakes and suspension belongs in a licensed "
    "workshop unless you are trained for it. Whether a car may use the road with a part fitted is for the local rules."
)
"""To whom an answer defers."""
