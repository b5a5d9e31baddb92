"""The app in a browser: pages for the roof, served from this machine or made on the phone itself."""

from __future__ import annotations

from ventwright.web.app import make_app

__all__ = ["make_app"]
