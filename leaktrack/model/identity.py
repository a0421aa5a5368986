"""Make keys for records: unique on every machine, and in the order in which they were made."""

import secrets
import time
from uuid import UUID


def new_id() -> UUID:
    """Return a fresh key that sorts after those made before it.

    Source:
        RFC 9562 section 5.7 (UUID version 7): 48 bits of Unix milliseconds, here followed by 12
        bits of the fraction of a millisecond (section 6.2, method 3), then random bits.
    """
    milliseconds, rest_ns = divmod(time.time_ns(), 1_000_000)
    fraction = rest_ns * 4096 // 1_000_000
    value = (milliseconds & (2**48 - 1)) << 80 | fraction << 64 | secrets.randbits(64)
    value = value & ~(0xF << 76) | 0x7 << 76
    value = value & ~(0x3 << 62) | 0x2 << 62
    return UUID(int=value)
