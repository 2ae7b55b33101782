"""What is sent to and from the service besides the answers every face gives."""
