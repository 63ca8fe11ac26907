"""What the YAML parser complains of, in the words of somebody who writes with a text editor."""

from __future__ import annotations

_NO_FIT = "this line does not fit those above it.", "Check its indentation, and the quotes above it."
_NO_DASH = "this line stands in a list and has no dash.", "Begin it with '- ', or indent it below the entry above."
_TAB = "this line is indented with a tab.", "Indent with spaces."
_COLON = "a colon stands inside this text.", "Put the text in quotes."
_WORDS = {
    "tab character": _TAB,
    "mapping values are": (
        "a colon stands where no field can begin.",
        "Quote text that holds a colon, or mend the indentation.",
    ),
    "expected ':'": ("a field has no colon after its name.", "Write 'name: value'."),
    "cannot start any": ("nothing can begin with this sign.", "Put the text in quotes."),
    "end of stream": ("a quotation mark is opened here and never closed.", "Close it."),
    "unexpected document": ("a quotation mark above this is never closed.", "Close it."),
    "',' or ']'": ("a list in [ ] lacks a comma or its closing bracket.", "Add what is missing."),
    "',' or '}'": ("fields in { } lack a comma or the closing brace.", "Add what is missing."),
    "block collection": _NO_DASH,
    "escape": ("the backslash begins nothing that is known.", "Use single quotes, or write it twice."),
    "expected key": _NO_FIT,
    "block end": _NO_FIT,
    "document start": _NO_FIT,
    "node content": ("a value, a field name or a closing bracket is missing here.", "Add it."),
    "maximum": ("this is nested too deep.", "Flatten it."),
    "alphabetic or numeric": ("a name must follow this & or *.", "Quote text that begins with & or *."),
    "tag": ("words that begin with ! are not read.", "Remove it, or put the text in quotes."),
}


def yaml_worded(parser_says: str, sign: str = "", before: str = "") -> tuple[str, str]:
    """(message, remedy) for a sentence of the YAML parser's.

    `sign` is what stands at the place it points to, and `before` what stands before that on the line: the parser has
    one sentence for slips that a person would not call the same.
    """
    if sign == "\t" and not before.strip():
        return _TAB
    if sign == ":" and (": " in before or "[" in before or "{" in before):
        return _COLON
    if sign in ("{", "[") and not before and "expected ':'" in parser_says:
        return _NO_DASH
    otherwise = "the YAML cannot be read here.", "Check indentation, quotes and colons here and just above."
    return next((words for known, words in _WORDS.items() if known in parser_says), otherwise)
