"""RFC 6902 patches. The examples are those of RFC 6902 (April 2013), appendix A, and of RFC 6901, section 5."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.fixes.patching import MISSING, PatchError, applied, difference, pointer, pointer_steps, same

# (clause, document, patch, result; None for a patch that must be refused)
APPENDIX_A = [
    ("A.1", {"foo": "bar"}, [{"op": "add", "path": "/baz", "value": "qux"}], {"baz": "qux", "foo": "bar"}),
    ("A.2", {"foo": ["bar", "baz"]}, [{"op": "add", "path": "/foo/1", "value": "qux"}], {"foo": ["bar", "qux", "baz"]}),
    ("A.3", {"baz": "qux", "foo": "bar"}, [{"op": "remove", "path": "/baz"}], {"foo": "bar"}),
    ("A.4", {"foo": ["bar", "qux", "baz"]}, [{"op": "remove", "path": "/foo/1"}], {"foo": ["bar", "baz"]}),
    (
        "A.5",
        {"baz": "qux", "foo": "bar"},
        [{"op": "replace", "path": "/baz", "value": "boo"}],
        {"baz": "boo", "foo": "bar"},
    ),
    (
        "A.6",
        {"foo": {"bar": "baz", "waldo": "fred"}, "qux": {"corge": "grault"}},
        [{"op": "move", "from": "/foo/waldo", "path": "/qux/thud"}],
        {"foo": {"bar": "baz"}, "qux": {"corge": "grault", "thud": "fred"}},
    ),
    (
        "A.7",
        {"foo": ["all", "grass", "cows", "eat"]},
        [{"op": "move", "from": "/foo/1", "path": "/foo/3"}],
        {"foo": ["all", "cows", "eat", "grass"]},
    ),
    (
        "A.8",
        {"baz": "qux", "foo": ["a", 2, "c"]},
        [{"op": "test", "path": "/baz", "value": "qux"}, {"op": "test", "path": "/foo/1", "value": 2}],
        {"baz": "qux", "foo": ["a", 2, "c"]},
    ),
    ("A.9", {"baz": "qux"}, [{"op": "test", "path": "/baz", "value": "bar"}], None),
    (
        "A.10",
        {"foo": "bar"},
        [{"op": "add", "path": "/child", "value": {"grandchild": {}}}],
        {"foo": "bar", "child": {"grandchild": {}}},
    ),
    ("A.11", {"foo": "bar"}, [{"op": "add", "path": "/baz", "value": "qux", "xyz": 123}], {"foo": "bar", "baz": "qux"}),
    ("A.12", {"foo": "bar"}, [{"op": "add", "path": "/baz/bat", "value": "qux"}], None),
    ("A.14", {"/": 9, "~1": 10}, [{"op": "test", "path": "/~01", "value": 10}], {"/": 9, "~1": 10}),
    ("A.15", {"/": 9, "~1": 10}, [{"op": "test", "path": "/~01", "value": "10"}], None),
    (
        "A.16",
        {"foo": ["bar"]},
        [{"op": "add", "path": "/foo/-", "value": ["abc", "def"]}],
        {"foo": ["bar", ["abc", "def"]]},
    ),
    # Clauses of section 4.
    ("4.1", {"a": [1]}, [{"op": "add", "path": "/a/2", "value": 0}], None),
    ("4.1", {"a": {"b": 1}}, [{"op": "add", "path": "/a", "value": 0}], {"a": 0}),
    ("4.2", {"a": 1}, [{"op": "remove", "path": "/b"}], None),
    ("4.3", {"a": 1}, [{"op": "replace", "path": "/b", "value": 1}], None),
    ("4.4", {"a": {"b": 1}}, [{"op": "move", "from": "/a", "path": "/a/b"}], None),
    ("4.5", {"a": {"b": 1}}, [{"op": "copy", "from": "/a", "path": "/c"}], {"a": {"b": 1}, "c": {"b": 1}}),
    ("4.6", {"a": True}, [{"op": "test", "path": "/a", "value": 1}], None),
    ("5", {"a": [1]}, [{"op": "replace", "path": "/a/01", "value": 0}], None),
    ("5", {"a": 1}, [{"op": "spin", "path": "/a"}], None),
]


@pytest.mark.parametrize(("clause", "document", "patch", "result"), APPENDIX_A)
def test_examples_of_the_standard(clause, document, patch, result):
    before = copy.deepcopy(document)
    if result is None:
        with pytest.raises(PatchError):
            applied(document, patch)
    else:
        assert applied(document, patch) == result
    assert document == before, clause


@pytest.mark.parametrize(
    ("text", "steps"),
    [("", ()), ("/foo", ("foo",)), ("/foo/0", ("foo", "0")), ("/", ("",)), ("/a~1b", ("a/b",)), ("/m~0n", ("m~n",))],
)
def test_pointers_of_rfc_6901(text, steps):
    assert pointer_steps(text) == steps
    assert pointer(steps) == text


def test_a_pointer_starts_with_a_stroke():
    with pytest.raises(PatchError):
        pointer_steps("foo")


def test_nothing_is_applied_of_a_patch_that_fails_later():
    document = {"a": 1, "b": {"c": 2}}
    with pytest.raises(PatchError):
        applied(document, [{"op": "replace", "path": "/a", "value": 5}, {"op": "remove", "path": "/z"}])
    assert document == {"a": 1, "b": {"c": 2}}


def test_what_is_not_changed_is_shared():
    document = {"a": {"x": [1, 2]}, "b": {"y": [3]}}
    changed = applied(document, [{"op": "replace", "path": "/b/y/0", "value": 4}])
    assert changed["a"] is document["a"]
    assert changed["b"] is not document["b"]


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 5) | st.text("ab/~", max_size=3),
    lambda each: st.lists(each, max_size=3) | st.dictionaries(st.text("ab/~", max_size=2), each, max_size=3),
    max_leaves=8,
)


@given(JSON, JSON)
def test_differences_are_all_there_is(old, new):
    """What `difference` lists, set on the old value, gives the new one."""
    patched = old
    for path, _, value in difference(old, new):
        if value is MISSING:
            patched = applied(patched, [{"op": "remove", "path": pointer(path)}])
        else:
            patched = applied(
                patched,
                [{"op": "add" if isinstance(_, type(MISSING)) else "replace", "path": pointer(path), "value": value}],
            )
    assert same(patched, new)
    assert difference(new, new) == []
