"""Whether the things of a shop fit each other.

One module a subject; each yields faults and warnings with the key path as it is written.
Limits on a single value belong to where it is read, not here.
"""

from mouldwright.domain.consistency.check import faults_of

__all__ = ["faults_of"]
