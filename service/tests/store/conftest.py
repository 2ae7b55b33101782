from promise_databases import bench, either_bench, empty_url, postgresql_databases

__all__ = ["bench", "either_bench", "empty_url", "postgresql_databases"]
