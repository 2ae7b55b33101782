"""Being signed in with a browser: one cookie that holds a token's secret, and a key for forms.

Pages and service read the same cookie. It is set HttpOnly and SameSite=Lax, and Secure where
the page came over https. A form carries a key that only a page of ours could have shown.
"""

from __future__ import annotations

import hmac
from urllib.parse import quote

COOKIE = "mouldwright_session"
FORM_KEY = "form_key"
SIGN_IN = "/sign-in"


def form_key(secret: str) -> str:
    """Return the key that every form of this session carries; it does not give the secret away."""
    return hmac.new(secret.encode(), b"form", "sha256").hexdigest()


def form_key_holds(secret: str, shown: str) -> bool:
    """Return whether a form was shown to whoever holds the secret."""
    return hmac.compare_digest(form_key(secret).encode(), shown.encode())


def sign_in_path(code: str) -> str:
    """Return the path of a one-time sign-in link; opening it uses nothing up, its button does."""
    return f"{SIGN_IN}?code={quote(code, safe='')}"
