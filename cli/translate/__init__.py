"""The one seam between pictures and lengths on one side and forces on the other.

`from_reading` makes a model of what was read, `places` says where its joints are in the plane, `to_truss`
makes of both what the solver takes. Nothing else knows types of both sides.
"""

__all__: list[str] = []
