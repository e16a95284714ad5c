"""Bodies that a schema does not allow, derived from it one fault at a time."""

import json

NOT_JSON = [b"", b"{", b"nonsense", b"{\"a\": }", b"\xff\xfe\x00", b"[1, 2", b"{} {}"]
NOT_OBJECTS = [b"null", b"[]", b"3", b"\"text\"", b"true"]
DEEP = b"{\"a\": " + b"[" * 5000 + b"]" * 5000 + b"}"
NO_NUMBERS = ["NaN", "Infinity", "-Infinity", "1e999", "-1e999"]
OTHER_TYPES = {"number": ["text", True, [], {}], "string": [3, True, [], {}], "boolean": ["yes", 1, []],
               "object": ["text", 3, []], "array": ["text", 3, {}], "integer": ["text", 1.5]}


def types_of(schema):
    if "enum" in schema:
        return ["string"]
    types = schema.get("type", [])
    return [types] if isinstance(types, str) else types


def wrong_values(schema):
    """Values of the wrong type, beyond a bound, or outside the choice."""
    types = types_of(schema)
    out = [v for v in OTHER_TYPES.get(types[0], [])] if types else []
    if "null" not in types:
        out.append(None)
    for key, step in (("minimum", -1), ("maximum", 1)):
        if key in schema:
            out += [schema[key] + step, step * 1e300]
    if "exclusiveMinimum" in schema:
        out += [schema["exclusiveMinimum"], schema["exclusiveMinimum"] - 1]
    if "maxLength" in schema:
        out.append("x" * (schema["maxLength"] + 1))
    if "enum" in schema:
        out += ["", "nonsense", "x" * 10000]
    if "maxItems" in schema:
        out.append(["x"] * (schema["maxItems"] + 1))
    if schema.get("items", {}).get("type") == "string":
        out += [[3], [None], [[]]]
    return out


def with_value(body, path, value):
    copy = json.loads(json.dumps(body))
    inner = copy
    for key in path[:-1]:
        inner = inner.setdefault(key, {})
    inner[path[-1]] = value
    return copy


def without(body, path):
    copy = json.loads(json.dumps(body))
    inner = copy
    for key in path[:-1]:
        inner = inner[key]
    del inner[path[-1]]
    return copy


def members(schema, path=()):
    """Every member that the schema knows, as (path, schema)."""
    for key, inner in schema.get("properties", {}).items():
        yield path + (key,), inner
        yield from members(inner, path + (key,))


def objects(schema, path=()):
    yield path, schema
    for key, inner in schema.get("properties", {}).items():
        if "object" in types_of(inner):
            yield from objects(inner, path + (key,))


def spelled(body, path, number):
    """The body with a member that JSON cannot hold, written out."""
    mark = "@number@"
    return json.dumps(with_value(body, path, mark)).replace(f'"{mark}"', number).encode()


def bad_bodies(schema, valid):
    """As (what, bytes). valid: a body that the schema allows, to break at one place."""
    for text in NOT_OBJECTS:
        yield "no object", text
    for path, member in members(schema):
        for value in wrong_values(member):
            yield f"{'.'.join(path)} = {str(value)[:20]}", json.dumps(with_value(valid, path, value)).encode()
        if "number" in types_of(member):
            for number in NO_NUMBERS:
                yield f"{'.'.join(path)} = {number}", spelled(valid, path, number)
    for path, inner in objects(schema):
        unknown = path + ("no_such_member",)
        yield "unknown " + ".".join(unknown), json.dumps(with_value(valid, unknown, 1)).encode()
        for key in inner.get("required", []):
            yield "without " + ".".join(path + (key,)), json.dumps(without(valid, path + (key,))).encode()
