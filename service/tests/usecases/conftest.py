from promise_databases import bench, either_bench, postgresql_databases

__all__ = ["bench", "either_bench", "postgresql_databases"]
