"""The document that the daemon serves, and what it says of an answer."""

import copy
import re

import jsonschema

COMMON_CODES = set(
    "wrong_token too_many_requests wrong_host foreign_origin no_origin viewer wrong_content_type body_too_large "
    "header_too_large not_http no_answer internal not_json too_deep not_finite wrong_type out_of_range missing "
    "unknown_field".split())


class Document:
    def __init__(self, text):
        self.text = text
        self.resolver = jsonschema.RefResolver("", text)

    def resolved(self, node):
        while "$ref" in node:
            node = self.resolver.resolve(node["$ref"])[1]
        return node

    def operations(self):
        for path, methods in self.text["paths"].items():
            for method, operation in methods.items():
                yield method.upper(), path, operation

    def operation(self, method, path):
        """Of a real path, as /v1/runs/run-1/result?units=ip."""
        for name, described, operation in self.operations():
            pattern = re.sub(r"\\{[^/]*\\}", "[^/]+", re.escape(described))
            if name == method and re.fullmatch(pattern, path.split("?")[0]):
                return operation
        raise KeyError(f"{method} {path} is not in the document")

    def faults(self, schema, value):
        validator = jsonschema.Draft202012Validator(schema, resolver=self.resolver,
                                                    format_checker=jsonschema.FormatChecker())
        return [f"{'.'.join(map(str, e.absolute_path))}: {e.message[:300]}" for e in validator.iter_errors(value)]

    def accepts_body(self, operation, value):
        content = operation["requestBody"]["content"]["application/json"]
        return not self.faults(content["schema"], value)

    def check_answer(self, method, path, answer):
        """All that is wrong with the answer as the document has it."""
        operation = self.operation(method, path)
        status = str(answer.status)
        described = operation["responses"].get(status) or operation["responses"].get(status[0] + "XX")
        if described is None:
            return [f"{method} {path}: the status {status} is not described"]
        described = self.resolved(described)
        faults = [] if "content" in described or not answer.body else ["a body where none is described"]
        for name in described.get("headers", {}):
            if name not in answer.headers:
                faults.append("the header " + name + " is missing")
        if "content" in described:
            faults += self._check_content(described["content"], answer)
        if answer.media_type == "application/problem+json":
            faults += self._check_code(operation, answer)
        return [f"{method} {path} {status}: {fault}" for fault in faults]

    def _check_content(self, content, answer):
        if answer.media_type not in content:
            return ["the content type is " + answer.media_type]
        if not answer.media_type.endswith("json"):
            return [] if answer.body else ["the body is empty"]
        return self.faults(content[answer.media_type]["schema"], answer.json())

    @staticmethod
    def _check_code(operation, answer):
        known = COMMON_CODES | set(operation.get("x-problem-codes", []))
        code = answer.json()["code"]
        return [] if code in known else [f"the code {code} is not described"]

    def inlined(self, schema):
        """A copy without references, for making bodies from it."""
        schema = copy.deepcopy(self.resolved(schema))
        if "properties" in schema:
            schema["properties"] = {k: self.inlined(v) for k, v in schema["properties"].items()}
        return schema
