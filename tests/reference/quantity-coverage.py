"""Coverage factors made with SciPy's Student's t. Run: python3 quantity-coverage.py

Writes quantity-coverage.json beside this file: [degrees of freedom, coverage probability, factor].
"""
import json
from pathlib import Path

import scipy
from scipy.stats import norm, t

freedoms = [1, 2, 3, 4, 5, 8, 9, 16, 30, 50, 100, 1000, 10**5, 10**6, 10**7 + 1, 10**8]
coverages = [0.5, 0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973]
rows = [[n, p, t.ppf((1 + p) / 2, n)] for n in freedoms for p in coverages]
normal = [[p, norm.ppf((1 + p) / 2)] for p in coverages]
path = Path(__file__).with_suffix(".json")
path.write_text(
    json.dumps({"scipy": scipy.__version__, "factors": rows, "normal": normal}, indent=1) + "\n"
)
