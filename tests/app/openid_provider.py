"""A small OpenID provider for the tests: the code flow of OpenID Connect Core 1.0, section 3.1,
with PKCE (RFC 7636) and the end of a session (OpenID Connect RP-Initiated Logout 1.0).

Its tokens are signed by joserfc, which no part of the app under test verifies them with but as any
client would: by the keys that the provider publishes.
"""

from __future__ import annotations

import base64
import hashlib
import secrets
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

import uvicorn
from joserfc import jwt
from joserfc.jwk import RSAKey
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response
from starlette.routing import Route

CLIENT, SECRET = "estimator", "a-secret-of-the-tests-and-no-others-0123456789"


@dataclass
class Provider:
    """Who there is, and what was given to whom.

    Parameters
    ----------
    address
        Issuer, as clients reach it.
    redirect
        Where alone a person is sent back to.
    people
        Name on the page → claims.
    lifetime
        Of an ID token [s]; below nothing, it has expired as it is given.
    """

    address: str
    redirect: str
    people: dict[str, dict[str, Any]]
    lifetime: float = 300.0
    key: RSAKey = field(
        default_factory=lambda: RSAKey.generate_key(2048, {"use": "sig", "alg": "RS256"})
    )
    codes: dict[str, dict[str, Any]] = field(default_factory=dict)
    ended: list[str] = field(default_factory=list)

    def metadata(self, _request: Request) -> Response:
        at = self.address
        return JSONResponse({
            "issuer": at, "authorization_endpoint": f"{at}/authorize",
            "token_endpoint": f"{at}/token", "jwks_uri": f"{at}/keys",
            "end_session_endpoint": f"{at}/end", "response_types_supported": ["code"],
            "subject_types_supported": ["public"], "scopes_supported": ["openid", "email"],
            "id_token_signing_alg_values_supported": ["RS256"],
            "code_challenge_methods_supported": ["S256"],
        })  # fmt: skip

    def keys(self, _request: Request) -> Response:
        return JSONResponse({"keys": [self.key.as_dict(private=False)]})

    def authorize(self, request: Request) -> Response:
        asked = dict(request.query_params)
        if asked.get("client_id") != CLIENT or asked.get("redirect_uri") != self.redirect:
            return JSONResponse({"error": "invalid_request"}, 400)
        if asked.get("code_challenge_method") != "S256":
            return JSONResponse({"error": "invalid_request"}, 400)
        links = "".join(
            f'<p><a href="/chosen?{urlencode({**asked, "who": name})}">{name}</a></p>'
            for name in self.people
        )
        return HTMLResponse(f"<h1>Who are you?</h1>{links}")

    def chosen(self, request: Request) -> Response:
        asked = dict(request.query_params)
        code = secrets.token_urlsafe(24)
        self.codes[code] = asked
        back = urlencode({"code": code, "state": asked["state"]})
        return RedirectResponse(f"{self.redirect}?{back}", 302)

    async def token(self, request: Request) -> Response:
        form = {name: str(value) for name, value in (await request.form()).items()}
        told = request.headers.get("authorization", "")
        basic = base64.b64encode(f"{CLIENT}:{SECRET}".encode()).decode()
        if told != f"Basic {basic}" and form.get("client_secret") != SECRET:
            return JSONResponse({"error": "invalid_client"}, 401)
        # A code is good once.
        asked = self.codes.pop(form.get("code", ""), None)
        proof = hashlib.sha256(form.get("code_verifier", "").encode()).digest()
        shown = base64.urlsafe_b64encode(proof).decode().rstrip("=")
        if asked is None or shown != asked["code_challenge"]:
            return JSONResponse({"error": "invalid_grant"}, 400)
        now = time.time()
        claims = {
            "iss": self.address, "aud": CLIENT, "sub": asked["who"], "nonce": asked.get("nonce"),
            "iat": int(now), "exp": int(now + self.lifetime), **self.people[asked["who"]],
        }  # fmt: skip
        signed = jwt.encode({"alg": "RS256", "kid": self.key.kid}, claims, self.key)
        return JSONResponse({"access_token": secrets.token_urlsafe(16), "token_type": "Bearer",
                             "expires_in": 300, "id_token": signed})  # fmt: skip

    def end(self, request: Request) -> Response:
        self.ended.append(request.query_params.get("client_id", ""))
        return RedirectResponse(request.query_params["post_logout_redirect_uri"], 302)


@contextmanager
def serving_provider(
    port: int, redirect: str, people: dict[str, dict[str, Any]]
) -> Iterator[Provider]:
    """Serve a provider in a thread of this process."""
    provider = Provider(f"http://localhost:{port}", redirect, people)
    provider.key.ensure_kid()
    routes = [
        Route("/.well-known/openid-configuration", provider.metadata),
        Route("/keys", provider.keys),
        Route("/authorize", provider.authorize),
        Route("/chosen", provider.chosen),
        Route("/token", provider.token, methods=["POST"]),
        Route("/end", provider.end),
    ]
    served = uvicorn.Server(
        uvicorn.Config(Starlette(routes=routes), "localhost", port, log_level="warning")
    )
    thread = threading.Thread(target=served.run, daemon=True)
    thread.start()
    while not served.started:
        assert thread.is_alive(), "the provider ended at once"
        time.sleep(0.05)
    yield provider
    served.should_exit = True
    thread.join(timeout=10)
