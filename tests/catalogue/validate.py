#!/usr/bin/env python3
"""validate: every file of the catalogue against its JSON schema, in TAP.

  validate CATALOGUE_FOLDER

A second opinion beside the loader's own checks: the schemas are what somebody who writes an exercise has open in the editor.
"""
import json
import pathlib
import sys

import jsonschema


def unique_keys(pairs):
    """Python keeps the last of doubled keys in silence; the loader refuses them, so this does too."""
    keys = [key for key, _ in pairs]
    if len(set(keys)) != len(keys):
        raise ValueError(f"doubled key among {keys}")
    return dict(pairs)


def read(path):
    return json.loads(path.read_text(encoding="utf-8"), object_pairs_hook=unique_keys)


def main(folder):
    root = pathlib.Path(folder)
    jobs = [(path, "movement") for path in sorted(root.glob("movements/*.json"))]
    jobs += [(root / f"{name}.json", name) for name in ("goals", "muscles", "cautions", "settings", "screening")]
    print(f"1..{2 * len(jobs)}")
    number = failed = 0
    for path, schema in jobs:
        validator = jsonschema.Draft202012Validator(read(root / f"{schema}.schema.json"))
        validator.check_schema(validator.schema)
        data = read(path)
        # A schema that lets anything through would pass the first case: the second adds a key that no schema knows.
        for what, data, good in (("fits", data, True), ("with an unknown key is refused", {**data, "no-such-key": 1}, False)):
            number += 1
            faults = [f"{fault.json_path}: {fault.message}"[:300] for fault in validator.iter_errors(data)]
            right = (not faults) == good
            failed += not right
            print(f"{'ok' if right else 'not ok'} {number} - {path.relative_to(root)} {what}")
            for fault in [] if right else faults:
                print(f"# {fault}")
    return failed > 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
