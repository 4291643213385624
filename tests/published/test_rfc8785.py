"""RFC 8785, JSON Canonicalization Scheme (2020), and FIPS 180-4, SHA-256.

The examples are FROM MEMORY: RFC 8785 section 3.2.2-3.2.3 and FIPS 180-4's
well-known digests of "abc" and of the empty message.
"""

from __future__ import annotations

import json

from rivetwright.record.chain import digest_of
from rivetwright.record.fact import canonical


def test_example_section_3_2() -> None:
    """Numbers, a string with every kind of escape, literals; keys in order."""
    said = json.loads(
        '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, '
        "0.000000000000000000000000001],"
        r'"string": "\u20ac$\u000F\u000aA' + "'" + r'\u0042\u0022\u005c\\\"\/",'
        '"literals": [null, true, false]}'
    )
    expected = (
        '{"literals":[null,true,false],'
        '"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA' + "'" + 'B\\"\\\\\\\\\\"/"}'
    )
    assert canonical(said) == expected.encode("utf-8")


def test_string_is_the_same_without_fractions() -> None:
    """The quicker way escapes the same string the same."""
    text = '\u20ac$\u000f\nA\'B"\\\\"/'
    expected = '{"string":"€$\\u000f\\nA' + "'" + 'B\\"\\\\\\\\\\"/"}'
    assert canonical({"string": text}) == expected.encode("utf-8")


def test_fips_180_4_examples() -> None:
    """SHA-256 of "abc" and of nothing."""
    abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    nothing = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert digest_of(b"abc") == abc
    assert digest_of(b"") == nothing
