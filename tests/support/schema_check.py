# Holds YAML files against a JSON Schema: schema_check.py SCHEMA FILE...
#
# For each file a line: its name and `valid`, or its name, where the first mistake is and what it is. The validator and
# the reader of YAML are not ours (Debian packages python3-jsonschema and python3-yaml).
import json
import sys

import jsonschema
import yaml

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
jsonschema.Draft7Validator.check_schema(schema)
validator = jsonschema.Draft7Validator(schema)
for path in sys.argv[2:]:
    with open(path, encoding="utf-8") as file:
        tree = yaml.safe_load(file)
    errors = sorted(validator.iter_errors(tree), key=lambda error: [str(step) for step in error.absolute_path])
    if errors:
        where = "/".join(str(step) for step in errors[0].absolute_path)
        # A key that cannot stand there has the schema `false`, which has no keywords.
        print(f"{path}: /{where}: {errors[0].validator or 'not allowed'}")
    else:
        print(f"{path}: valid")
