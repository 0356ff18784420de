"""Are these files what the schema says?

usage: validate.py SCHEMA.json FILE.json...
"""
import sys

import schemas

schema, *files = sys.argv[1:]
wrong = [f"{file}: {fault}" for file in files for fault in schemas.faults(schema, schemas.read(file))]
print("\n".join(wrong))
sys.exit(bool(wrong))
