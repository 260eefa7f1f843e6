"""`fxstudio scene`: a scene of your own locomotive, from photographs."""
