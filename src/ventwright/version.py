"""The version of this program, named in every document it writes."""

VERSION = "0.1.0"
