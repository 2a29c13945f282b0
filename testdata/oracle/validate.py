"""Judges documents by the bundled schema with a validator of Python: a line of 1 or 0 for each line of
the input. Run by .ci/prove documents, with Python 3.11 and jsonschema 4.26.0 (JSON Schema 2020-12):

    pip install jsonschema==4.26.0 && python3 validate.py schema.v1.json < documents.jsonl
"""

import json
import sys

from jsonschema import Draft202012Validator

with open(sys.argv[1], encoding="utf-8") as f:
    validator = Draft202012Validator(json.load(f))
for line in sys.stdin:
    print(1 if validator.is_valid(json.loads(line)) else 0)
