"""One recipe, many sets of artwork: a kit of each.

In: a recipe, what the options change in it (``asked``, ``motifs``), and a folder of sets. Out: a
kit a set in a folder of its own, each made in a worker (``one_set``) or on a cluster, and one page
of them all (``many``, ``overview``). Not done here: measuring and composing a kit
(``kitloom.kits``), its files (``kitloom.make``).
"""
