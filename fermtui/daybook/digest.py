"""The digest behind the keys of the cache, without the cryptography that hashlib loads first: 2 ms of every start."""

try:
    from _blake2 import blake2b
except ImportError:  # a Python that builds it otherwise
    from hashlib import blake2b

__all__ = ["blake2b"]
