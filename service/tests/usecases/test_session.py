"""The key in a form: it goes with one session and gives nothing away."""

from __future__ import annotations

import hashlib
import hmac

from promise_bench import KEY, NOW

from mouldwright.usecases.access import caller, issue, promise_sign_in, sign_in
from mouldwright.usecases.errors import NotSignedIn
from mouldwright.usecases.kept import Role
from mouldwright.usecases.session import (
    BY_LINK,
    form_key,
    form_key_holds,
    sign_in_path,
    sign_out,
)


def test_a_form_key_is_the_hmac_of_the_word_form_under_the_secret():
    # RFC 2104, spelled out over SHA-256 with its block of 64 bytes.
    key = b"a secret".ljust(64, b"\0")
    inner = hashlib.sha256(bytes(k ^ 0x36 for k in key) + b"form").digest()
    outer = hashlib.sha256(bytes(k ^ 0x5C for k in key) + inner).hexdigest()
    assert form_key("a secret") == outer == hmac.new(b"a secret", b"form", "sha256").hexdigest()


def test_a_form_key_holds_for_its_own_session_alone():
    assert form_key_holds("one", form_key("one"))
    assert not form_key_holds("one", form_key("two"))
    assert not form_key_holds("one", "")
    assert not form_key_holds("one", "é")


def test_a_sign_in_path_carries_the_code_whole():
    assert sign_in_path("a-b_C9") == "/sign-in?code=a-b_C9"
    assert sign_in_path("a&b/c") == "/sign-in?code=a%26b%2Fc"


def test_signing_out_withdraws_what_a_link_gave_and_nothing_else(bench):
    def a_token(label):
        with bench.units.write_house() as unit:
            given = issue(
                unit.tokens,
                shop=KEY,
                role=Role.OWNER,
                label=label,
                days=1,
                now=NOW,
                chance=lambda: f"{label} {'x' * 20}",
            )
            unit.commit()
        return given

    for label, stays in ((BY_LINK, False), ("tablet at the press", True)):
        given = a_token(label)
        sign_out(bench.units, given.token, now=NOW)
        held = caller_or_none(bench, given.secret)
        assert (held is not None) == stays


def test_the_label_of_a_links_token_is_the_one_sign_in_gives(bench):
    code = promise_sign_in(
        bench.units, shop=KEY, role=Role.OWNER, minutes=1, now=NOW, chance=lambda: "c" * 40
    )
    given = sign_in(bench.units, code, days=1, now=NOW, chance=lambda: "s" * 40)
    assert given.token.label == BY_LINK


def caller_or_none(bench, secret):
    try:
        return caller(bench.units, secret, now=NOW)
    except NotSignedIn:
        return None
