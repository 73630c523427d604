"""Values that published standards, textbooks, libraries or a closed form give for what the product computes.

`VALUES[topic][entry]` has `inputs`, `expected`, `units`, `tolerance`, `source`, `how_known` and `verified_by`.
A value whose `how_known` ends in `from_memory` was written down from memory and checked as `verified_by` says.
"""

import json
from pathlib import Path
from typing import Any

VALUES: dict[str, dict[str, dict[str, Any]]] = json.loads(
    (Path(__file__).parent / "values.json").read_text(encoding="utf-8")
)
