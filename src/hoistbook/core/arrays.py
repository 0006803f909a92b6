"""The one array type of the core: float64, shapes stated where used."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
