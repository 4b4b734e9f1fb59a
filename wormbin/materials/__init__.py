"""Floor 2: the sourced material table: what each bedding, feed and amendment is made of, and what is kept out."""

from wormbin.materials.material import Composition, Material, Pace, Role, carbon_bound, from_proximate
from wormbin.materials.table import MaterialTable, default_table, kg_of, read_portion

__all__ = [
    "Composition",
    "Material",
    "MaterialTable",
    "Pace",
    "Role",
    "carbon_bound",
    "default_table",
    "from_proximate",
    "kg_of",
    "read_portion",
]
