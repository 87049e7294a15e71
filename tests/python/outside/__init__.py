"""Outside references: general-purpose libraries that solve what leanwright solves.

Nothing here imports, calls or copies leanwright's own solver; the equations are written
down anew from first principles, once per formulation.
"""
