"""How the generators beside it write their file: one case a line."""

import json
import platform

import mpmath
import numpy
import scipy


def write(name, cases):
    tools = f"Python {platform.python_version()}, numpy {numpy.__version__}, scipy {scipy.__version__}, mpmath {mpmath.__version__}"
    print('{"made_with": ' + json.dumps(tools) + ',')
    print(' "command": ' + json.dumps(f"/usr/bin/python3 {name}.py > {name}.json") + ',')
    print(' "cases": [')
    print(",\n".join("  " + json.dumps(c) for c in cases))
    print("]}")
