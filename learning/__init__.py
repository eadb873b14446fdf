"""What the seam verdict learnt: from which drawings and faults, by which means, told how far off.

In: the drawings of this folder, and public tiles of two Debian packages. Out: the table of trees in
``patterns/seams``, grown by ``python -m learning``, and its recall on hands left out. Not done
here: asking the trees (``patterns.seams``); figures of the whole verdict (``benchmarks.seams``).
It is not installed with the packages, none of which may import it.
"""
