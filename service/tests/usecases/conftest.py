from promise_databases import bench, either_bench, postgresql_url

__all__ = ["bench", "either_bench", "postgresql_url"]
