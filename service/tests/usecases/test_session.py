"""The key in a form: it goes with one session and gives nothing away."""

from __future__ import annotations

import hashlib
import hmac

from mouldwright.usecases.session import form_key, form_key_holds, sign_in_path


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
