"""Hands that nothing was chosen by: artwork of others, and drawings by a generator of their own.

In: a folder that ``python -m learning.sealed.fetch FOLDER`` filled from package registries, by
name, version and digest (``packages.json``). Out: what the verdict says of it, by
``python -m learning.sealed FOLDER``. Not done here: learning or choosing anything. Whoever tunes by
these figures unseals the set: it is development data from then on, and another has to take its
place.
"""
